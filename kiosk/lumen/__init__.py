"""A lumen: its geometry, what fits and reaches, the plan of checks, the share seen, its drawing. Pure; imports core."""
