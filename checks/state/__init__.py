"""The state after the events so far: answers, evidence, revisions, signatures, what is reopened."""
