"""Finding out how an answer is laid out: which of the dialect language's grammars reads it, and what it then states."""
