"""Tests of cells and workbooks."""
