"""The order of solves, from a problem to a layout that is proven and checked."""
