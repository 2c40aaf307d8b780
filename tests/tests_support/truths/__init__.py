"""The truth of the test consoles against their own text: the packages, and how somebody of the trade reads them."""
