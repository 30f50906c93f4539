"""Formulas, molar masses and concentrations; pure."""
