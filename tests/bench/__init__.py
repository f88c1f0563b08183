"""How fast it is: ``python -m tests.bench`` prints one table of measured figures. No test: nothing here is collected."""
