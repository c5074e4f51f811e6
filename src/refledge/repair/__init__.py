"""What breaks first, what to keep in stock, what the log says, what to print again."""
