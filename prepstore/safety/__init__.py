"""What can hurt: hazard statements, cautions and peroxides, by plain rules with their sources."""
