"""What a meet is: settings, columns, marks, problems, and the folder as it was read."""
