"""A Plan to paper and screen: words and cells, no arithmetic of its own."""
