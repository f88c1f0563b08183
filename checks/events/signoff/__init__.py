"""Events of the sign-off: revisions, keys, signatures, accepted residual risks, exports."""
