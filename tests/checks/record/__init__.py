"""Tests of the records: the journal, revisions, sign-off, re-assessment."""
