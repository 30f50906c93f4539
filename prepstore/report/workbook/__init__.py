"""A Plan as a workbook to print and to click through: one module a sheet.

The sheets' modules turn a plan into pages (`page`): columns and rows of words and numbers. Only
`lay_out`, `styles` and `charts` know the library that writes the file, and `workbook` saves it.
"""
