"""Redundancy methods (betas and plant data to PFDavg and PFH), one module for each method and edition."""
