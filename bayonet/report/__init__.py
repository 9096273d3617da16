"""What people read: pictures, tables, text for machines. Renders; computes nothing."""
