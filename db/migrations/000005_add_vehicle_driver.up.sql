-- Who drives a vehicle. Rows that are there already: up to 3,500 kg with its load one of the crew does, on the licence for cars
-- (Directive 2006/126/EC, article 4), and a driver is hired for what is heavier.
ALTER TABLE items ADD COLUMN vehicle_driver text;

UPDATE items SET vehicle_driver = CASE WHEN mass_kg + vehicle_payload_kg > 3500 THEN 'hired' ELSE 'crew' END WHERE kind = 'vehicle';

ALTER TABLE items
    DROP CONSTRAINT items_vehicle_attributes,
    ADD CONSTRAINT items_vehicle_attributes CHECK (num_nonnulls(vehicle_payload_kg, vehicle_load_m3, vehicle_seats, vehicle_driver)
        = CASE WHEN kind = 'vehicle' THEN 4 ELSE 0 END),
    ADD CONSTRAINT items_vehicle_driver_known CHECK (vehicle_driver IN ('crew', 'hired'));
