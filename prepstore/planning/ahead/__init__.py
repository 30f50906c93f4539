"""The term ahead: weeks planned one after another, what runs out, and what to order when."""
