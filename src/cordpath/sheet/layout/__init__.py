"""What lies where on a sheet: views, legends and schedules, title block."""
