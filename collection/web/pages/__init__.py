"""What each page says, worked out before its template sees it."""
