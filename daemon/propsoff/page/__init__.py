"""The page in a browser and the interface for programs: both show, and ask, one running bench."""
