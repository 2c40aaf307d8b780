"""Build sheets: what a craft should be, read from TOML and chosen by match rules."""
