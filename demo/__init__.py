"""The invented demonstration plant, Quillmarch Works."""
