"""The numbers of a covering job, one subject a file: pure functions on plain SI numbers, no quantity type inside."""
