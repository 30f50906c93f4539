"""Shelf: what happens to lots, worked out from what is there; pure."""
