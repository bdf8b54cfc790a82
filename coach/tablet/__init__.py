"""The tablet's screens, drawn with Kivy: they draw what `coach.view` says and send actions, and hold no rule."""
