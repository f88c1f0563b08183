"""Tests of checks/: the plant file, the banks, the answers, the assessment and the command line."""
