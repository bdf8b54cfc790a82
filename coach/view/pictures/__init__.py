"""Pictures of the job, drawn from the boat's own measures: each function takes plain metres and returns a Drawing."""
