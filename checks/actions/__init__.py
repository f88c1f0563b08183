"""Actions: their rules, the register, the list that goes out to a spreadsheet and comes back."""
