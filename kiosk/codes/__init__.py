"""What a code means: house codes with a check character, GS1 element strings, and pictures of both."""
