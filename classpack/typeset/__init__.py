"""Page text to paper: checked elements, blocks that know their height, one tagged PDF. Knows nothing of bread."""
