"""What people see: the picture, the page, the tables and the command line."""
