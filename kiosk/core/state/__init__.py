"""The bench's state, a part a module: frozen records that the folds make anew, and what one by itself can tell."""
