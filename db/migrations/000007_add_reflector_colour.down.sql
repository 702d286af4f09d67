ALTER TABLE items
    DROP CONSTRAINT items_reflector_colour_shifts,
    DROP CONSTRAINT items_reflector_attributes,
    ADD CONSTRAINT items_reflector_attributes CHECK (num_nonnulls(reflector_width_m, reflector_height_m, reflector_face_a, reflector_diffuse_a,
        reflector_specular_a, reflector_lobe_a_deg, reflector_face_b, reflector_diffuse_b, reflector_specular_b, reflector_lobe_b_deg)
        = CASE WHEN kind = 'reflector' THEN 10 ELSE 0 END),
    DROP COLUMN reflector_colour_shift_a_mired,
    DROP COLUMN reflector_colour_shift_b_mired;
