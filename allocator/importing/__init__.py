"""The spreadsheet that a practitioner already has, as a problem; a first folder; a folder as a workbook."""
