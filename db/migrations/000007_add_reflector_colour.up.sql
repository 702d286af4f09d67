-- By how many mired each face of a reflector shifts what it gives back; a cloth has its shift already. Of rows that are there the name
-- is all that is known: gold and its like warm by some 80 mired, half of the way from daylight to tungsten light (common practice, no
-- source), and no other face is told to shift.
ALTER TABLE items
    ADD COLUMN reflector_colour_shift_a_mired double precision,
    ADD COLUMN reflector_colour_shift_b_mired double precision;

UPDATE items SET
    reflector_colour_shift_a_mired = CASE WHEN reflector_face_a IN ('gold', 'copper', 'bronze') THEN 80 ELSE 0 END,
    reflector_colour_shift_b_mired = CASE WHEN reflector_face_b IN ('gold', 'copper', 'bronze') THEN 80 ELSE 0 END
    WHERE kind = 'reflector';

ALTER TABLE items
    DROP CONSTRAINT items_reflector_attributes,
    ADD CONSTRAINT items_reflector_attributes CHECK (num_nonnulls(reflector_width_m, reflector_height_m, reflector_face_a, reflector_diffuse_a,
        reflector_specular_a, reflector_lobe_a_deg, reflector_colour_shift_a_mired, reflector_face_b, reflector_diffuse_b, reflector_specular_b,
        reflector_lobe_b_deg, reflector_colour_shift_b_mired) = CASE WHEN kind = 'reflector' THEN 12 ELSE 0 END),
    ADD CONSTRAINT items_reflector_colour_shifts CHECK (reflector_colour_shift_a_mired BETWEEN -500 AND 500
        AND reflector_colour_shift_b_mired BETWEEN -500 AND 500);
