#pragma once
#if TEMP_SENSOR_0 == 1000
  #define HOTEND0_PULLUP_RESISTOR_OHMS 4700    // Pullup resistor
  #define HOTEND0_RESISTANCE_25C_OHMS  100000  // Resistance at 25C
  #define HOTEND0_BETA                 3950    // Beta value
  #define HOTEND0_SH_C_COEFF           0       // Steinhart-Hart C coefficient
#endif
#if TEMP_SENSOR_BED == 1000
  #define BED_BETA                     3434
#endif
#if ENABLED(THERMAL_PROTECTION_HOTENDS)
  #define THERMAL_PROTECTION_PERIOD        40U
  #define THERMAL_PROTECTION_HYSTERESIS     4
  #if BOTH(ADAPTIVE_FAN_SLOWING, PIDTEMP)
    //#define NO_FAN_SLOWING_IN_PID_TUNING
  #endif
  #define WATCH_TEMP_PERIOD                20
  #define WATCH_TEMP_INCREASE               2
#endif
#if ENABLED(THERMAL_PROTECTION_BED)
  #define THERMAL_PROTECTION_BED_PERIOD        20
  #define THERMAL_PROTECTION_BED_HYSTERESIS     2
  #define WATCH_BED_TEMP_PERIOD                60
  #define WATCH_BED_TEMP_INCREASE               2
#endif
#define FAN_KICKSTART_TIME 200
#define FAN_MIN_PWM 51
#define FAST_PWM_FAN
#if ENABLED(FAST_PWM_FAN)
  #define FAST_PWM_FAN_FREQUENCY 1000
#endif
#define E1_AUTO_FAN_PIN PE6
#define E2_AUTO_FAN_PIN -1
#define CHAMBER_AUTO_FAN_PIN -1
#define EXTRUDER_AUTO_FAN_TEMPERATURE 45
#define EXTRUDER_AUTO_FAN_SPEED 255
#if HAS_TRINAMIC_CONFIG
  #if AXIS_IS_TMC_CONFIG(X)
    #define X_CURRENT       800
    #define X_RSENSE          0.11
  #endif
  #if AXIS_IS_TMC_CONFIG(E0)
    #define E0_CURRENT      650
    #define E0_MICROSTEPS    16
    #define E0_RSENSE         0.11
  #endif
#endif
//#define SENSORLESS_HOMING
//#define SENSORLESS_PROBING
#if EITHER(SENSORLESS_HOMING, SENSORLESS_PROBING)
  #define X_STALL_SENSITIVITY 8
#endif
