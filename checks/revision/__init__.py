"""Content of a revision: the basis of one safety system, and its results."""
