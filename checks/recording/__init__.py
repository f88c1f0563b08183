"""Recording of events: answers, evidence, dissents, attendance, plant data."""
