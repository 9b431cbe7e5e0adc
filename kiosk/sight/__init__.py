"""Stills down a lumen: color, the bore's axis, comparing, pointing out, how good a picture is. A person decides.

numpy stands at the top of these modules: they are imported on first use, on a worker, never on the way of a touch.
scipy is imported inside the function that uses it.
"""
