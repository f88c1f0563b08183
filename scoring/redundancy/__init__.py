"""Betas and plant data to PFDavg and PFH: one module a method and edition."""
