"""CSV and XLSX: cells, sheets, workbooks."""
