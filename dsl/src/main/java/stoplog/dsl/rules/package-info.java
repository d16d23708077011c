/**
 * What a plant must keep to beyond names and units, one class a rule. {@link
 * stoplog.dsl.rules.Rules} lists them all.
 */
@NullMarked
package stoplog.dsl.rules;

import org.jspecify.annotations.NullMarked;
