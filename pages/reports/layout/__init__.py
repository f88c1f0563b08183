"""The layout of a PDF page: text, tables, blocks, fonts."""
