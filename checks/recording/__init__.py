"""How what a person does becomes an event: answers, evidence, dissents, attendance, plant data."""
