"""Drawn on paper: letters and their measures, words in lines, pictograms, codes to scan."""
