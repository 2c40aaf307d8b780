"""The character overlay as geometry: where elements lie on a grid, how a layout is moved to another one, drawings."""
