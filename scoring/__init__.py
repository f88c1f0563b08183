"""Calculations: numbers in, numbers out.

No question texts, plant files, users or clocks. Rates are per hour, times are hours,
beta factors and probabilities are fractions.
"""
