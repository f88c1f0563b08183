"""Pure engineering: numbers in, numbers out.

Nothing here knows a question text, a file, a user or a clock. Rates are per hour, times are hours,
beta factors and probabilities are fractions.
"""
