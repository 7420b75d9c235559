"""Templates, words and the look to page text and web pages: what a sheet says, in somebody's words."""
