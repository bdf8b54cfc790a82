"""The yard around a job: its policy and crew, its stock, the desk that opens jobs, the questions a review asks."""
