"""Actions: their rules, the recorded ones, the list that goes out to a spreadsheet and comes back."""
