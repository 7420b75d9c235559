"""Page text to paper: templates are filled, checked, laid out and drawn as one tagged PDF."""
