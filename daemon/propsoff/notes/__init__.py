"""Hand notes: what a person answers to the questions of a build sheet, because no console can."""
