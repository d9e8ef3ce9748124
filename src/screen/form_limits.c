#include "form_parts.h"

#include "base/text.h"

#include <math.h>

/* Limits from the makers' papers: told at the field that passes one. */

static bool is_of_a_bike(const struct form *form)
{
    return form->kind == FORM_SETUP || form->kind == FORM_CORRECT || form->kind == FORM_BIKE;
}

bool form_limit_passed(const struct form_field *field, const struct view *view, char *text,
                       size_t size)
{
    int key = field->kind == FIELD_NUMBER ? bike_key_find(field->key) : -1;
    return key >= 0 && bike_limit_passed(&view->limits, key, form_number(field), text, size);
}

void form_limits_text(char *text, size_t size, struct form *form, const struct view *view)
{
    struct bike_values bike;
    text_copy(text, size, "");
    if (is_of_a_bike(form) && form_bike_typed(form, view, &bike)) {
        bike_limits_passed(&view->limits, &bike, text, size);
    }
}
