"""Labels on paper: what stands on them, how large, where on the sheet, and the PDF."""
