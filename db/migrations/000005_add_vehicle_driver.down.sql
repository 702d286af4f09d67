ALTER TABLE items
    DROP CONSTRAINT items_vehicle_driver_known,
    DROP CONSTRAINT items_vehicle_attributes,
    ADD CONSTRAINT items_vehicle_attributes CHECK (num_nonnulls(vehicle_payload_kg, vehicle_load_m3, vehicle_seats)
        = CASE WHEN kind = 'vehicle' THEN 3 ELSE 0 END),
    DROP COLUMN vehicle_driver;
