"""The plant as tables: sheets with columns, cell values, lists from a spreadsheet, faults at cells, preview, template."""
