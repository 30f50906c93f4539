"""Orders as one decision: what may be bought, what must be covered, and what is cheapest."""
