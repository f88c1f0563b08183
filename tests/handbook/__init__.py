"""Published values, one file per source; each check names document, place and how well the value is known."""
