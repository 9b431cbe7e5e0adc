"""What a person sees and touches: the only widgets. Words come ready in the views."""
