"""Changes, failures, reopened answers, and due dates of assessments."""
