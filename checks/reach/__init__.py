"""The reach of a compromise: zones and conduits as a graph, the zones that defeat a function, what is not independent."""
