"""What a document is: schemas, the table of traits and the reader that gives every value its place."""
