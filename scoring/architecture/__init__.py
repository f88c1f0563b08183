"""Architecture: safe failure fraction, and the hardware fault tolerance that each route of the standards asks for."""
