"""A report as files: CSV, XLSX, PDF, and a bundle in which every sum can be worked out again."""
