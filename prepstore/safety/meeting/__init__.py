"""What must not meet: pairs of substances looked up by groups in a published chart."""
