"""One thin file for each page: it names the function that draws it."""
