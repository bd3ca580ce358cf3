"""What a club hands out or puts up: sheets, each kind with its view."""
