"""Facts to a Plan: pure; no file, no database, no clock."""
