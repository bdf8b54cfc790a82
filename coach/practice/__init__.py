"""Practice and play: workers that act on the real kernel with a made-up world and a clock of their own."""
