"""The screens of the common-cause and cyber sessions."""
