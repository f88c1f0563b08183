"""Tests of the hardware fault tolerance and of the safe failure fraction."""
