"""What each screen and sheet shows, as plain values and drawings; no toolkit."""
