"""Learning a console that no dialect speaks: how it talks, what its replies say, and a draft of a dialect."""
