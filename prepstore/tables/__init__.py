"""Intake: the set of tables people keep, read, checked, written and offered as a template."""
