"""The press page and sheet, notable facts in words, facts for Markdown pages."""
