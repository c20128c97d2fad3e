"""What is wrong in the files themselves."""
