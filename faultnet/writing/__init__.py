"""Papers as plain values, and their writers: HTML, Markdown, PDF; knows neither cases nor pumps."""
