"""Pure decisions about bookings; no Django."""
