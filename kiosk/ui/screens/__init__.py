"""The screens, one file each; the type of a view picks its screen (kiosk.ui.window)."""
